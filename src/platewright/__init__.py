"""Platewright: bent-plate brackets from shop measurements."""
