"""From settings to objects: the only room that names the world outside and the service together."""
