"""Hand-worked decks as data, and the runner that holds the service to them."""
