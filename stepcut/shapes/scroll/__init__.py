"""A face scroll: a flat spiral groove in the face of a disc, table flat and X."""
