"""Every sentence that is told: findings, fabric, lays, figures."""
