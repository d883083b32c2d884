"""Cautions and plain words that stand on every page and sheet of warranties and callbacks."""

NOT_LIABLE = (
    "The system lists evidence and computes; it never says who is liable. Contract, law and "
    "licensed practice decide."
)
CUTTING = (
    "Coring, cutting, grinding and patching: silica dust harms the lungs, wet it or collect it and "
    "wear what protects them; wet cement burns skin and eyes; keep water under pressure away from "
    "people; fence off traffic and trip hazards; keep slurry and wash water out of storm drains. "
    "Local codes and licensed practice come first."
)
PLACING = (
    "Wet cement burns skin and eyes: gloves, boots, eye protection, wash at once. Dust of dry "
    "cement and of cutting harms the lungs. Trucks back up: keep clear, one person signals. Wash "
    "out only where local codes allow. They and licensed practice come first."
)
