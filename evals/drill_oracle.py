class Oracle:
    def __init__(s,f): pass
    def faults(s,i): return []
