"""The town of Sedgewater, an invented town to try the record with: its tables become rows.

Only `manage.py load_demo` comes here. Everything is written by the actions that people use, so
what the pages say of the town is what they would say of a real one. The tables lie in
fixtures/demo; what they leave open is left open, and what had to be invented beside them (where
the town lies, how its grids run, who works where) stands in `ground.py` and `people.py`.
"""
