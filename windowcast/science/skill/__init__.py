"""How good forecasts were: errors, scores and their skill, reliability, and errors to learn from.

Losses are arrays with one element for each case, NaN where something is untold; what sums them up
counts the cases that it used and those that it dropped, and gives no value where they are too few.
"""
