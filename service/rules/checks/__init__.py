"""Rules: the checks, one function for each rule: a comparison and the sentence that tells of it."""
