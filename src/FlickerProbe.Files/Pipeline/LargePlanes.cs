namespace FlickerProbe.Files.Pipeline;

/// <summary>Gives memory back that large planes took which are done with: left to itself the run-time lets the next ones pile up on them.</summary>
internal static class LargePlanes
{
    private const long Many = 96L << 20; // bytes, planes that no frame has filled yet among them

    /// <summary>Gives everything back, also what the run-time would keep for later.</summary>
    public static void GiveBack() => GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive);

    /// <summary>Makes room again where much is in use; within an estimate, where the same planes are needed again at once.</summary>
    public static void GiveBackWhereMany()
    {
        if (GC.GetTotalMemory(forceFullCollection: false) > Many) GC.Collect(GC.MaxGeneration, GCCollectionMode.Forced, blocking: true, compacting: false);
    }
}
