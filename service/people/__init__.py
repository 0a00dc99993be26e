"""Who may do what: accounts, keys, sessions, tokens, and the gate every request passes."""
