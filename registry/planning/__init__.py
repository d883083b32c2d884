"""What is due, when and why; the season; rounds of the crews and their check.

Pure: frozen dataclasses in and out, `as_of` an argument. Lengths m, areas m2, volumes L or m3,
masses kg, rates mm/h, times h unless a name says otherwise; money in the currency of its prices.
What cannot be decided is a `NotDecided` that says what is missing; `PlanningError` is a number that
cannot be.

rules               the rules a stop must keep, and what broke one
words, faults       NotDecided; PlanningError and its kin
order_moves         states of a work order, and what may follow
methods             methods of cleaning, what each is for, what it may go on
proposal            the method proposed for what was found
seasons             what the season is for and rules out: calendar, dated facts, earliest day
limits              hours, degrees and days that may be set otherwise, with whose they are
weather_rules       notice that the day itself must keep
called_off          the next window, and which before-tests go stale
site_hours          N21, hours on site
crew_day            N22, a day as written held against the clock
debris, cost_of_function, spend, sweep_order    N23 to N26
permit_minimums     "twice a year", counted beside the model
expected_gain       what a cleaning is expected to give, with an interval
due                 one pavement: what, when, why, what it gives and costs
enough              whether sweeping is still enough: the six rules
checked_order       did it work: accept, accept in part, redo; a person decides
rounds/             which crew, which day, in what order
"""
