"""What is computed once on a folded piece: crowns, tops, joints, layers of walls."""
