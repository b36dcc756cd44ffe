"""A sphere's way off a deck: random decks, their bodies, what findings tell, and the search."""
