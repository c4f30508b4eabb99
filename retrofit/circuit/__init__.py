"""What an instrument circuit does: networks, sources, movements and readings; knows no plan."""
