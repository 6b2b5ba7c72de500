"""Rules about plugs and sockets."""
