"""One numbered script a revision; none is changed once it was released."""
