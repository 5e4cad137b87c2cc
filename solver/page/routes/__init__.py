"""Routes by topic. Each file lists its own; what they share is ``request.app.state.page``."""
