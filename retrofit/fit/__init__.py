"""Whether a part goes in: thread, seal, earth, ratings, place, warning switch, panel."""
