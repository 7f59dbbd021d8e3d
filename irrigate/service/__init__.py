"""The service: gather, think, write the intent, act, write the outcome."""
