"""The tour of the made-up household: five things in two minutes, left at any moment."""
