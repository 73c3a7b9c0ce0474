"""Pure rules of billing: sums, what is open and since when, what may be done with a paper."""
