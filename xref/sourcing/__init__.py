"""Sourcing: suppliers, wants, enquiries, offers, orders, what is due, the buying plan, goods in.

Rules that need no storage stand alone (`due_rules`, `plan_model`, `letters`,
`calendar_file`, `readings`); the other modules read and write the state and return the
JSON documents of the command line as dicts.
"""
