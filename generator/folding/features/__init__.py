"""What is computed once on a folded piece: floors, tabs, rings, tops, lids, joints, plates, ribbons."""
