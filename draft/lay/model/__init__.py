"""What a lay is made of: cloth, parts, positions, and the bounds on its length."""
