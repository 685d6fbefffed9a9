"""Revisions of a record: what changed, which verdicts turned with it, and what the history is worth as evidence.

Only :mod:`asfitted.history.objects` talks to git, and it only reads.

``revision``, ``repository``, ``trees``, ``last_touch``   commits as values; what git knows of them
``side``, ``points``, ``report``   a home at a revision, read and judged when asked; two of them compared whole
``changes``, ``compare_*``     what changed, in the words of the trade
``verdict_changes``, ``trial``, ``beside``   which verdicts turned, and what turned each
``trace``, ``onset``           the revision that brought in a failing finding
``integrity``                  visits edited later, days that do not fit, signatures, digests
"""
