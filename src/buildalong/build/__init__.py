"""Building: placing the parts on a board, and the steps that lead a beginner through it."""
