"""The service: plans requests, stores and audits every reply, and answers over HTTP."""
