"""The person laid on the sculpt, and what the stills then show of how it is off."""
