"""What is told about a finished pattern: measurements, landmarks, effects, the body in words."""
