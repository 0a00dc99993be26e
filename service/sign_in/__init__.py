"""Coming in by an account that somebody else keeps: an OpenID provider, or a learning system. Needs the extra ``sign-in``."""
