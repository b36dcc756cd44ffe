"""The commands: many decks, and one."""
