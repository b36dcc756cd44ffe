"""Deck guards: from a measured deck to posts, cuts, glass and findings.

The rooms are below. Imports between them run one way only, which tests/test_rooms.py checks.

core    the method: geometry, layout, cuts. Standard library and shapely only.
rules   findings: what the code, the kit and the survey say of a layout. Sees core.
wire    the contract: JSON read into records, records written as JSON, the published schemas.
data    the kits and codes, read once at start.
drawings  sheets: plans, elevations and lists of a layout, for paper and other programs.
compare the variants that a document asks for, one line of the reply each.
answer  one document in, one document out.
refusals, batch  every kind of refusal; many documents, one a line.
cells, streams   the text of one cell; standard input, output and error.
web     HTTP: routes, refusals, limits.
lay_out, bulk    the commands: one deck, many decks.
"""

RELEASE = "0.34.0"
