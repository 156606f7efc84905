"""Plans a day out: daylight, travel along mapped ways, and the route that is worth most."""
