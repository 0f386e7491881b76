"""The books: beers and their versions, drafts, brewhouses, waters, stock and gyles, kept in one store."""
