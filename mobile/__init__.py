"""The phone: what people do in the garden, kept on the phone first. Knows nothing of the server's code."""
