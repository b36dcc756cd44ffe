"""Wire, writing: the reply, written from a layout and its findings (contract, section 7)."""
