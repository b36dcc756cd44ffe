"""Decks worked by hand, as data, and the runner that checks the service against them."""
