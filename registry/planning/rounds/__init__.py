"""Rounds: which orders, which day, which crew, in what order; checked, explained, planned anew.

From a `Problem` (plain data) to a `Plan`. pyvrp, pyproj and NumPy; no clock, no random state, no
files: seed, iterations, seconds and the clock that counts them are arguments. Modules, in the order
they use one another:

hours, crew, order, travel, plan, problem   what is given, and what comes out
site_time                                   N21, minutes on site
resting, suits, ground, fitting             shifts with breaks; what suits; a crew-day by the clock
reload, axis, model                         the round as pyvrp takes it, in whole minutes
fill_up, left_out, solve                    the plan, and why each order left out was
objective, greedy                           what a plan costs; nearest due, to compare
check, check_days, check_hours, check_loads a plan held against every rule, by code of its own
replan                                      pins, locks, moves, called-off days
season_risk                                 what the season's plan buys

Where to start: `solve_round(problem, SolveOptions(seed=1, most_iterations=2000))`,
`breaches_of(problem, plan)`.
"""
