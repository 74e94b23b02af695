"""What grows: every crop on every bed from every sowing, its nights, and what stands, is moved, raised or kept."""
