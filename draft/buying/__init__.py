"""What to buy: fabric, elastic, thread and other notions."""
