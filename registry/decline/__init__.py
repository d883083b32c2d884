"""The decline of a whole portfolio of pavements, and the outlook of each.

From `Records` (plain arrays) to a `FitResult` (parameters with intervals, checks) to `Outlooks`
(rate, chance of being below the action level, day to sweep by). NumPy and SciPy only; no clock, no
random state, no files. Modules, in the order they use one another:

records, observations, histories, portfolio   what is known, and what of it is an observation
ages                                          effective age, and its slope in the recoveries
parameters, priors                            the parameters, and what is thought before any test
pair, blocks, likelihood, slopes,
  propagation, objective                      the penalised marginal likelihood and its gradient
nodes, crowded                                pavements with several bounds, exactly
options, climbing, information, checks, fit   its maximum, how sure, and whether to believe it
estimates, backtest                           what drives clogging, and whether it foretells
truncated, ageing, posterior, outlook         what it means for each pavement and spot
curve, sustainable                            its rate over days, and intervals that hold
written, digest, simulate                     as plain values; whether stale; invented portfolios

Where to start: `gather_portfolio(records, as_of)`, `fit_decline(portfolio)`,
`outlooks_of(portfolio, fit.parameters)`; after one new test
`outlook_of(records, parameters, as_of)` with the records of that pavement only. A pool is one set
of records, fitted by itself.
"""
