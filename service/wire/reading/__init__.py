"""Wire, reading: documents that fit their forms, read into the records that core takes."""
