"""The sewing order with its pictures."""
