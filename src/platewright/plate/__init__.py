"""What a bent plate is: stock, bends, panels, the bracket, its placing and its blank."""
