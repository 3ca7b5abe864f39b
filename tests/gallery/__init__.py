"""Pictures of the cards, made by a script."""
