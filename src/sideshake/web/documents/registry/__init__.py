"""Every paper of a visit: asked for, made, and what it lacks."""
