"""Cards: a solved plan in, text or bytes out.  No card does sums.

``wording`` says remarks and refusals in shop words; ``terminal``, ``pdf``, ``html``, ``csv_card`` and ``json_card`` print a
:class:`~stepcut.acts.Card`.
"""
