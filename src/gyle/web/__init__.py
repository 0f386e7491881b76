"""The line on screen: pages served on the brewer's own machine."""
