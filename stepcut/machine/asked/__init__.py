"""What is asked when a machine is described, by subject: the rotary table, the straight scales, and the rest of the shop.

``question`` says what a question is and has the readers that several subjects use.
"""
