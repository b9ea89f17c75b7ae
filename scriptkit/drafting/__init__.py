"""A recipe that exists already, as a saved page or a text, into a draft dish file with every guess marked."""
