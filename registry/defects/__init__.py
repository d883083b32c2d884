"""Defects: their kinds, how bad they are, how they grow, and what may follow.

Pure: measures, places and dates in, frozen results out. No clock, no settings, no database. SI
inside; kinds, states and severities are short codes. Where no number or word may be given, the
result says why in its place. Import from the module of the matter: `kinds`, `measured`,
`grading`, `urgency`, `moves`, `same`, `growth`, `counted`, `evidence`.
"""
