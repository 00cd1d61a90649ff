"""Reading other programs' files: what a logger wrote in, what is known of each day out."""
