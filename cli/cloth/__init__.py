"""Lays on the fabric, drawn and tabled; the lay kept beside a spec."""
