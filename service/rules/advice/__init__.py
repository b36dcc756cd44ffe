"""Rules, advice: for each rule that fails, a change that was tried and passes (`advice.advise`)."""
