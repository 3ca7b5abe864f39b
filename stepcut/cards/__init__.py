"""Cards: a solved plan in, text or bytes out.  No card does sums.

``wording`` says remarks and refusals in shop words; ``sheet`` turns a plan into rows of finished text; ``terminal``,
``pdf``, ``html``, ``csv_card`` and ``json_card`` print them.
"""
