"""Wire, writing: a layout and its findings to the reply (contract, section 7)."""
