"""What only a large club needs: a server, a cluster, workbooks. Reached by `plugin_registry.py` alone."""
