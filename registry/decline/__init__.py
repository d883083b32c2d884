"""The decline of a whole portfolio of pavements, and the outlook of each.

From `Records` (plain arrays) to a `FitResult` (parameters with intervals, checks) to `Outlooks`
(rate, chance of being below the action level, day to sweep by). NumPy and SciPy only; no clock, no
random state, no files. Modules, in the order they use one another:

records, observations, histories, portfolio   what is known, and what of it is an observation
ages                                          effective age, and its slope in the recoveries
parameters, priors                            the parameters, and what is thought before any test
pair, likelihood, propagation, objective      the penalised marginal likelihood and its gradient
options, climbing, fit, information, checks   its maximum, how sure, and whether to believe it
crowded                                       pavements with several stopped tests, exactly
truncated, posterior, ageing, outlook         what it means for each pavement and spot
"""
