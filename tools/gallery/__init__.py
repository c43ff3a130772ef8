"""The gallery: one page with every kind of picture that the program draws, for people who look after them.

Run by ``make gallery``; ``python -m tools.gallery --help`` tells how to choose what is drawn.
"""
