"""The conversation: what is kept between messages, and how each message is taken."""
