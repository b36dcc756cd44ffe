"""Core, finishing: levels and flights as they were drawn become the layout: everything gets its
number and its record, gates are hung, and what the rules are to judge is seen."""
