"""Ways to reach people, and the outboxes that use them.

Importing any of these modules does not import apprise: a run that sends nothing stays small.
"""
