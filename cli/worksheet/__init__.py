"""What stands on the worksheet for the table."""
