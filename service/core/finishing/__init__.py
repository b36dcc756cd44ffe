"""Core, finishing: from levels and flights as drawn to the layout. Everything gets its id and its
record, gates are hung, and what the rules are to judge is observed."""
