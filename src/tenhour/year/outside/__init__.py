"""Light and air outdoors: the site's sun, its normals or its own weather, hour by hour."""
