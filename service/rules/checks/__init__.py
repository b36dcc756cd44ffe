"""Rules: the checks, one function a rule. Each is one comparison and its sentence."""
