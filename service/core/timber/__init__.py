"""Core, timber: joists and rim in plan, what each fixing lands in, blocking (method 11)."""
