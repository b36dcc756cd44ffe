"""Wire, reading: documents that fit their forms, to the records that the method reads."""
