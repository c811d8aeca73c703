"""What a trial shows, drawn, and the alteration written into the spec."""
