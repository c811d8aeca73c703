"""Ways of laying: general, narrow fold, stripes, borders; and lays that are kept."""
