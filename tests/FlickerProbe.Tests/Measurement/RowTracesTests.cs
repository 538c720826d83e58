using FlickerProbe.Footage;

namespace FlickerProbe.Tests.Measurement;

public class RowTracesTests
{
    [Fact]
    public void Room_that_was_too_small_grows_and_keeps_what_it_held()
    {
        var matrix = new TraceMatrix(2, 3, expectedFrames: 1);
        for (int frame = 0; frame < 5; frame++)
        {
            for (int row = 0; row < 3; row++) matrix.Set(1, frame, row, 10 * frame + row);
        }
        RowTraces traces = matrix.ToTraces(5, 0, 3);
        Assert.Equal([0, 1, 2, 10, 11, 12, 20, 21, 22, 30, 31, 32, 40, 41, 42], traces.Strip(1).ToArray());
        Assert.All(traces.Strip(0).ToArray(), light => Assert.Equal(0, light));
    }

    [Fact]
    public void Light_that_was_released_can_not_be_read_as_darkness()
    {
        var matrix = new TraceMatrix(2, 3, expectedFrames: 4);
        matrix.Set(0, 3, 2, 0.5);
        RowTraces traces = matrix.ToTraces(4, 10, 100), again = matrix.ToTraces(4, 10, 100);
        traces.Release();
        Assert.Throws<ObjectDisposedException>(() => traces.Strip(0).Length);
        Assert.Equal((4, 3, 2, 10, 100), (traces.Frames, traces.Rows, traces.Strips, traces.FirstCodedRow, traces.CodedHeight));
        // What filled them must not hold on to them.
        Assert.Throws<ObjectDisposedException>(() => again.Strip(1).Length);
    }

    /// <summary>The memory is given back at once, although the region that was read is still at hand.</summary>
    [Fact]
    public void Released_light_takes_no_memory()
    {
        var matrix = new TraceMatrix(1, 1000, expectedFrames: 16_000);
        matrix.Set(0, 0, 0, 1);
        RowTraces traces = matrix.ToTraces(16_000, 0, 1000);
        WeakReference plane = PlaneOf(matrix);
        GC.Collect();
        Assert.True(plane.IsAlive);
        traces.Release();
        GC.Collect();
        Assert.False(plane.IsAlive);
        GC.KeepAlive(traces);
        GC.KeepAlive(matrix);
    }

    [System.Runtime.CompilerServices.MethodImpl(System.Runtime.CompilerServices.MethodImplOptions.NoInlining)]
    private static WeakReference PlaneOf(TraceMatrix matrix)
    {
        float[][] strips = (float[][])typeof(TraceMatrix).GetField("_strips", System.Reflection.BindingFlags.NonPublic | System.Reflection.BindingFlags.Instance)!.GetValue(matrix)!;
        return new WeakReference(strips[0]);
    }
}
