"""The shop's pipe drawn: a plan to scale, or a line diagram where no positions are told."""
