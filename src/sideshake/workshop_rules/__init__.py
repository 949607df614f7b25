"""What the numbers mean for the job: look-over, cautions, options, prices, plan, acceptance."""
