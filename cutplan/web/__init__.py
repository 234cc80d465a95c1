"""The bench: the same actions as the command line's, as pages for a browser. Only the command ``serve`` knows of it.

From the bottom: ``guard`` (who may ask for what), ``look`` (templates), ``plan_runs`` (searches in processes of their
own), a module for each kind of page, ``bench``, which puts their routes together, and ``serving``, which listens.
"""
