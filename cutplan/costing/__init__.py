"""What a job costs a workshop beyond its steel: hours from what the plan counts, coats by area, rates and a price."""
