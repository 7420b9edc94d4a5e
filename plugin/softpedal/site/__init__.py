"""From Routes and Measures to pages, pictures and exports."""
