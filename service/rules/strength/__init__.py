"""Rules: the formulas and tables of the preliminary strength check, as pure functions.

Every function takes units that go together: in, lbf and psi, or mm, N and MPa. Where a formula or a
table is printed in only one of these sets, its docstring says so.
"""
