"""The household's plan: what is offered to the search, and what it chose told as an answer."""
